"""The live bench and its keeping: everything of the app without a picture."""
