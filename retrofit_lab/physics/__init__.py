"""Pure functions of building physics on floats or arrays in declared units; no files, no units library, no house."""
