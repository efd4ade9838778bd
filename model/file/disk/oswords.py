"""Plain words for what the operating system refuses, and what to do about it."""

import errno

_WORDS = {
    errno.EACCES: ("you are not allowed to", "change its permissions or use another folder"),
    errno.EPERM: ("you are not allowed to", "change its permissions or use another folder"),
    errno.EROFS: ("this disk cannot be written to", "use another folder"),
    errno.ENOSPC: ("the disk is full", "free some space or use another disk"),
    errno.EDQUOT: ("your share of the disk is used up", "free some space or use another disk"),
    errno.EFBIG: ("the file is too big for this disk", "use another disk"),
    errno.EEXIST: ("there is a file of this name already", "choose another name"),
    errno.ENOENT: ("there is no such file or folder", "check the name"),
    errno.ENOTDIR: ("a part of this path is a file, not a folder", "check the name"),
    errno.EISDIR: ("this is a folder", "name a file in it"),
    errno.ENAMETOOLONG: ("the name is too long", "use a shorter one"),
    errno.ELOOP: ("this link leads back to itself", "name the file it should lead to"),
    errno.EINVAL: ("this name cannot be used here", "choose another"),
    errno.EIO: ("the disk failed", "use another disk, and look after this one"),
    errno.EBUSY: ("another program holds this file", "close it there and try again"),
    errno.ETXTBSY: ("another program holds this file", "close it there and try again"),
    errno.EMFILE: ("too many files are open", "close some programs and try again"),
    errno.ENFILE: ("too many files are open", "close some programs and try again"),
}

# Windows, to whoever would write a file that a spreadsheet has open: ERROR_SHARING_VIOLATION and
# ERROR_LOCK_VIOLATION of Microsoft's System Error Codes. Their errno is EACCES.
_HELD = (32, 33)


def os_words(error: OSError | ValueError) -> tuple[str, str]:
    """Say what went wrong with a file, and what to do; a ``ValueError`` is an unusable name."""
    if not isinstance(error, OSError):
        return "this name cannot be used for a file", "choose another"
    if getattr(error, "winerror", None) in _HELD:
        return _WORDS[errno.EBUSY]
    if error.errno in _WORDS:
        return _WORDS[error.errno]
    return f"the system refused: {error.strerror or type(error).__name__}", ""
