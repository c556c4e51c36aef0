"""The same study over a table of many houses: its reading, the answer for each row, and who works it out."""
