"""What an improvement changes, costs, lasts, needs and warns of; the catalogue is in the data folder."""
