"""What bills tell: split, compared with the model, and fitted to it; no file is read."""
