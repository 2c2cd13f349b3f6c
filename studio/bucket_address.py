"""Where files are kept, as `FILES_URL` has it: s3://KEY:SECRET@BUCKET?endpoint=https://HOST&region=NAME."""

from urllib.parse import parse_qsl, unquote, urlsplit

from django.core.exceptions import ImproperlyConfigured

FORM = "s3://KEY:SECRET@BUCKET?endpoint=https://HOST&region=NAME"


def bucket_options(address: str) -> dict[str, str]:
    """As the storage takes them; none for no address. What is special in a key is percent-encoded.

    Raises ImproperlyConfigured, which names what is wrong and never the secret.
    """
    if not address:
        return {}
    try:
        parts = urlsplit(address)
        asked = dict(parse_qsl(parts.query, strict_parsing=True))
        endpoint = urlsplit(asked.pop("endpoint", ""))
        origin_of(endpoint.geturl())
    except ValueError:
        raise _wrong("it can’t be read") from None
    if parts.scheme != "s3":
        raise _wrong("it begins with something else than s3://")
    if not (parts.username and parts.password):
        raise _wrong("key or secret is missing")
    if not parts.hostname or parts.path.strip("/"):
        raise _wrong("one bucket is named after the @, and nothing behind it")
    if endpoint.scheme not in {"http", "https"} or not endpoint.hostname:
        raise _wrong("endpoint is no address of a server")
    region = asked.pop("region", "us-east-1")
    if asked:
        raise _wrong(f"nobody knows {', '.join(asked)}")
    return {
        "access_key": unquote(parts.username),
        "secret_key": unquote(parts.password),
        "bucket_name": parts.hostname,
        "endpoint_url": endpoint.geturl(),
        "region_name": region,
    }


def origin_of(endpoint: str) -> str:
    """Scheme, host and port: what a content security policy names."""
    parts = urlsplit(endpoint)
    return f"{parts.scheme}://{parts.netloc}"


def _wrong(why: str) -> ImproperlyConfigured:
    return ImproperlyConfigured(f"FILES_URL: {why}. It reads {FORM}")
