"""Looking back: one bake, two side by side, the list searched, each event as a sentence."""
