"""Django's makemessages, which also collects what is marked with `N_`."""

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    xgettext_options = [  # noqa: RUF012 - as the base has it
        *makemessages.Command.xgettext_options,
        "--keyword=N_",
    ]
