"""What rings, how it sounds, and which of several windows may ring."""
