"""What a group guessed and wrote down on the lesson pages, kept beside its sheet."""

from moonreach.sheet.kept import KeptFile

SKIPPED = ""  # a guess that was left out


class PageNotes(KeptFile):
    """A group's guess in each lesson and its notes; in memory only where there is no path."""

    what = "guesses and notes"

    @staticmethod
    def look(held):
        """Go through the guesses and notes of each lesson."""
        for lesson in held.values():
            for text in lesson.values():
                text.strip()

    def get(self, lesson: str, name: str) -> str | None:
        """Return what was written under a name, or None where nothing was."""
        return self.held.get(lesson, {}).get(name)

    def keep(self, lesson: str, name: str, text: str):
        """Keep a guess or a note, in place of what was written under that name."""
        with self.alone():
            self.held.setdefault(lesson, {})[name] = text[:4000]
