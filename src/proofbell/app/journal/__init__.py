"""The pages that look back: every bake, one bake, two side by side, what was learned."""
