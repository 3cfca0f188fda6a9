"""The drawings of the lessons, and the slider figure that moves them."""
