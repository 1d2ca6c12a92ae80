"""What the web server loads."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "api.settings")
# Only the web server's threads come back to the database again and again; a command connects once.
os.environ.setdefault("PAWLBOOK_POOL_SIZE", "8")

application = get_wsgi_application()
