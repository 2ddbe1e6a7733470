"""Many bakes on one oven and few hands: the plan, what clashes, and what moved."""
