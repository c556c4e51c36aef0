"""Subcommands of the command line that belong to no page."""
