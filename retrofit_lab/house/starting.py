"""A complete starting house from a few answers; what nobody answered is a usual number, kept as an estimate.

The geometry is that of a plain rectangle; usual numbers are in ``data/starting_items.toml``.
"""
