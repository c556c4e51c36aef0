"""The calendar of a typical year by month; weather belongs to the climate room."""

import numpy as np

MID_MONTH = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
"""Day of the year in the middle of each month, counted from the start of January. [day]"""
DAYS_PER_YEAR = 365.0
