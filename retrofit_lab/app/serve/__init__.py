"""The page server: places, kernels, doors."""
