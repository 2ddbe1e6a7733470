"""The store of every bake ever made: append, read, review, compare, export, learn."""
