"""Bills of a house: read from files, and fitted to the model."""
