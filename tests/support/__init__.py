"""What tests share: doughs, kitchens, stages, hostile text, a terminal."""
