"""The pages that weigh out a dough and explain its times."""
