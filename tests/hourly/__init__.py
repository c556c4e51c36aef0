"""A house written hour by hour, apart from the product and sharing no formula with it; see simulate.py."""
