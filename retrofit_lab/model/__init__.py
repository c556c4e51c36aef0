"""The annual energy of one described house: puts the physics together, month by month; no prices, no measures."""
