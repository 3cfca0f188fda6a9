"""From readings to results: uncertainty, inputs, the steps, a group, the class."""
