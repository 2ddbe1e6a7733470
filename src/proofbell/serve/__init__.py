"""The bench in a browser: the door, the page, and a process for each window, which is a bench like any other.

It knows no bake and no journal. What is drawn goes through the library textual-serve, which comes with the extra
``serve``; `door`, `reach`, `keys` and `pages` do without it.
"""
