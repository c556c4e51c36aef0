"""What an improvement changes, costs, lasts, needs and warns of; the catalog is in the data folder."""
