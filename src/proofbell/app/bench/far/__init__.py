"""The far view: one dough over the whole screen."""
