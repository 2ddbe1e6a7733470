"""Many bakes on one oven and one pair of hands: plan, clashes, what comes next."""
