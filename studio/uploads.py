from django.core.files.uploadhandler import TemporaryFileUploadHandler

# What else a form may carry beside its file; Django itself refuses more than 2.5 MB of it.
OTHER_FIELDS_BYTES = 4 << 20


class LimitedUploadHandler(TemporaryFileUploadHandler):
    """Streams a file to the disk, and writes nothing more of one larger than `limit` bytes.

    The form then finds an empty file that states a size over the limit, and can say so beside the
    field with everything else that was typed still there.
    """

    def __init__(self, request, limit: int):
        super().__init__(request)
        self.limit = limit

    def handle_raw_input(self, input_data, META, content_length, boundary, encoding=None):
        self.too_large = content_length > self.limit + OTHER_FIELDS_BYTES
        self.request_bytes = content_length

    def receive_data_chunk(self, raw_data, start):
        if start + len(raw_data) > self.limit:
            self.too_large = True
            self.file.seek(0)
            self.file.truncate()
        if not self.too_large:
            self.file.write(raw_data)

    def file_complete(self, file_size):
        size = max(file_size, self.request_bytes) if self.too_large else file_size
        return super().file_complete(size)
