"""The main pages as they look on a terminal, kept as text: glyphs, and the style of each."""
