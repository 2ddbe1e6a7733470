"""The screens. One file a screen, one file a widget."""
