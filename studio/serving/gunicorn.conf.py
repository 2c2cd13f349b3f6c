"""How the pages are served. A request is short: uploads come in pieces, the worker measures, and the proxy
takes in what is slow. Who needs a thread for long is somebody who downloads a pack: nginx.conf lets four.

No process ends after so many requests: it would cut off whoever downloads.
"""

bind = "127.0.0.1:8000"
worker_class = "gthread"
workers = 2  # unless `manage.py serve` says how many
threads = 8
timeout = 120  # seconds without a sign of life of a process, not of a request
control_socket_disable = (
    True  # `manage.py serve` steers it; the studios of one account would share one
)
