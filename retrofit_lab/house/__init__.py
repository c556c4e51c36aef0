"""The frozen, validated description of one house, its file format, and what the model sees of it."""
