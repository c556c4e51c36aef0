"""The error that the rooms of money raise; what can be wrong is said where it is checked."""

from retrofit_lab.values import InputError


class MoneyError(InputError):
    """Terms of money that cannot be used."""
