"""What a suite in Python found: one line a check, and how many in the end."""


class Checks:
    def __init__(self):
        self.passed = self.failed = 0

    def that(self, what, holds, shown=""):
        self.passed += bool(holds)
        self.failed += not holds
        print(f"{'ok' if holds else 'not ok'} - {what}" + ("" if holds else f": {shown}"), flush=True)

    def told(self):
        """The suite's exit code, after its last line."""
        print(f"{self.passed} passed, {self.failed} failed", flush=True)
        return int(self.failed > 0 or self.passed == 0)
