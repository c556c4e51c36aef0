"""The report that stays: pages, tables and the leave-behind page."""
