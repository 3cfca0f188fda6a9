"""A package, so that what its tests share is given back after the last of them."""
