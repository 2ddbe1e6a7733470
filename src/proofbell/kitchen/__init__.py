"""The facts of this kitchen: room, fridge, oven, probe, scale, altitude, hands, rules that apply."""
