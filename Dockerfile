# The service with its pinned dependencies, run by nobody in particular.
FROM python:3.11-slim

COPY .ci/requirements.txt /tmp/requirements.txt
RUN pip install --no-cache-dir --require-hashes -r /tmp/requirements.txt && rm /tmp/requirements.txt

WORKDIR /srv/endline
COPY service service
COPY openapi_examples openapi_examples
RUN python -m compileall -q service && useradd --system --no-create-home endline
USER endline

ENV PYTHONUNBUFFERED=1 MPLCONFIGDIR=/tmp/matplotlib
EXPOSE 8000
HEALTHCHECK --interval=10s --timeout=3s --start-period=20s \
    CMD ["python", "-c", "from urllib.request import urlopen; urlopen('http://127.0.0.1:8000/healthz', timeout=2)"]

# Listening on every interface is for the inside of a container, so it is said here and nowhere else.
ENTRYPOINT ["python", "-m", "service"]
CMD ["serve", "--host", "0.0.0.0"]
