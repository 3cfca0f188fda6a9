"""The drawings of the lessons and commands, and the slider figure that moves them."""
