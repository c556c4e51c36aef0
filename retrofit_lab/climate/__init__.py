"""Sites and daily weather, and the monthly numbers that the model takes from them."""
