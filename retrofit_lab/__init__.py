"""Retrofit Lab: how home energy improvements interact, what they save, cost and need."""

__version__ = "0.1.0"
