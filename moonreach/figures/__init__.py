"""One drawing for each lesson, in the house's colours."""
