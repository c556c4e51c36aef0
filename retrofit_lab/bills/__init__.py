"""Reading bills, splitting them into base and weather, fitting the model to them, and noticing what is odd."""
