"""Pictures made of cells: strips, charts, time axes, large digits."""
