"""What a bake asks of its baker: what a prompt is, those of the oven, those at a stage's end."""
