"""How the commands read what they are given."""
