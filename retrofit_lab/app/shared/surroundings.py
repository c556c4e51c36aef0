"""Names under which a page's process is told its files, and where the chart library lies; nothing is read here."""

from pathlib import Path

HOUSE_VARIABLE = "RETROFIT_LAB_HOUSE"
BILLS_VARIABLE = "RETROFIT_LAB_BILLS"
PRICES_VARIABLE = "RETROFIT_LAB_PRICES"
LANGUAGE_VARIABLE = "RETROFIT_LAB_LANGUAGE"
FOLDER_VARIABLE = "RETROFIT_LAB_FOLDER"
GUESSES_VARIABLE = "RETROFIT_LAB_GUESSES"
TRAINER_VARIABLE = "RETROFIT_LAB_TRAINER"
JOIN_VARIABLE = "RETROFIT_LAB_JOIN"
TEMPLATES = Path(__file__).parents[1] / "serve" / "share"
CHART_LIBRARY = TEMPLATES / "voila/templates/retrofit_lab/static/plotly-basic.min.js"
