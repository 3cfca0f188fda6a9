"""What a lesson page talks to: form, answers, photograph, the group's own results."""
