"""The log: one JSON object a line on standard error, without secrets."""

from __future__ import annotations

import logging.config

import structlog
from structlog.typing import EventDict, WrappedLogger

SECRET_WORDS = ("password", "secret", "token", "authorization", "cookie", "csrf")


def without_secrets(_: WrappedLogger, __: str, event: EventDict) -> EventDict:
    """This will blank every value whose name says that it is a secret."""
    for name in event:
        if any(word in name.lower() for word in SECRET_WORDS):
            event[name] = "(not logged)"
    return event


SHARED: list[structlog.typing.Processor] = [
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_log_level,
    structlog.stdlib.add_logger_name,
    structlog.stdlib.ExtraAdder(),
    structlog.processors.TimeStamper(fmt="iso", utc=True),
    structlog.processors.format_exc_info,
    without_secrets,
]


def configure(level: str) -> None:
    """This will send both structlog's and the standard library's records to the same JSON lines."""
    structlog.configure(
        processors=[
            structlog.stdlib.filter_by_level,
            *SHARED,
            structlog.stdlib.ProcessorFormatter.wrap_for_formatter,
        ],
        logger_factory=structlog.stdlib.LoggerFactory(),
        cache_logger_on_first_use=True,
    )
    formatter = {
        "()": structlog.stdlib.ProcessorFormatter,
        "foreign_pre_chain": SHARED,
        "processors": [
            structlog.stdlib.ProcessorFormatter.remove_processors_meta,
            structlog.processors.JSONRenderer(),
        ],
    }
    logging.config.dictConfig(
        {
            "version": 1,
            "disable_existing_loggers": False,
            "formatters": {"json": formatter},
            "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "json"}},
            "root": {"handlers": ["stderr"], "level": level},
            # "extra" of a failed request holds the request itself, headers and all
            "loggers": {
                "django.request": {"level": "ERROR"},
                "axes": {"level": "WARNING"},
                "celery.beat": {"level": "WARNING"},
                "celery.app.trace": {"level": "WARNING"},
                "celery.worker.strategy": {"level": "WARNING"},
            },
        }
    )
