# The web server and the management commands. The database is another container: see docker-compose.yml.
FROM python:3.13-slim

ENV PYTHONDONTWRITEBYTECODE=1 PYTHONUNBUFFERED=1 PIP_DISABLE_PIP_VERSION_CHECK=1
WORKDIR /app

COPY requirements.txt .
RUN pip install --no-cache-dir --require-hashes --requirement requirements.txt

COPY . .
RUN useradd --system --no-create-home pawlbook && mkdir -p var && chown pawlbook var
USER pawlbook

EXPOSE 8000
HEALTHCHECK --interval=10s --timeout=5s --start-period=60s --retries=3 \
    CMD ["python", "-m", "shared.web", "127.0.0.1:8000"]
# Migrates as the owner, then serves as the application.
CMD ["python", "-m", "shared.launch", "serve", "0.0.0.0:8000"]
