"""The one thing that the outside uses: one house with its weather, bills and terms, and its plans."""
