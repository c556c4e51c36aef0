"""Results in a notebook: the line, the table and the figure of each. Only here do pandas and plotly draw them."""
