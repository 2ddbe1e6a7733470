"""One live bake: events, state, decisions. Pure; it is handed the time and never asks for it."""
