"""The annual energy of one described house: puts the physics together, month by month; no prices, no measures.

In the examples of this room ``house`` is a shipped house as found, ``climate`` the typical year of its place;
``year_energy``, ``replace`` of dataclasses and ``np`` are at hand too. They are run by the tests.
"""
