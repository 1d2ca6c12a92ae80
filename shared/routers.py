"""Which database alias does what: rows through the app's role, tables through the owner's."""

from typing import Any


class MigrationsAsOwner:
    """Migrations run on the alias `owner` and nowhere else; rows are never read or written through it."""

    def allow_migrate(self, db: str, app_label: str, **hints: Any) -> bool:
        return db == "owner"

    def allow_relation(self, obj1: object, obj2: object, **hints: Any) -> bool:
        # All aliases are one database.
        return True
