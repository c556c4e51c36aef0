"""What can hurt someone: cautions, hazards that hold measures, fresh air."""
