#include "scene/basics/text_of_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

namespace fs = std::filesystem;

std::string words_of_kind(fs::file_type type) {
    switch (type) {
        case fs::file_type::directory:
            return "a folder";
        case fs::file_type::fifo:
            return "a named pipe";
        case fs::file_type::socket:
            return "a socket";
        case fs::file_type::character:
        case fs::file_type::block:
            return "a device";
        case fs::file_type::none:
        case fs::file_type::not_found:
        case fs::file_type::regular:
            return "";
        case fs::file_type::symlink:
        case fs::file_type::unknown:
            break;
    }
    return "no plain file";
}

FileFault unreadable(int error) {
    return {FileFault::Kind::unreadable, std::strerror(error), 0};
}

/// Reads to the end, or one byte further than allowed; zero or the error number.
int read_all(int descriptor, std::uintmax_t most_bytes, std::string& text) {
    std::array<char, 65536> buffer;
    while (text.size() <= most_bytes) {
        const ssize_t count = ::read(descriptor, buffer.data(), buffer.size());
        if (count == 0) return 0;
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return errno;
        text.append(buffer.data(), static_cast<std::size_t>(count));
    }
    return 0;
}

}  // namespace

FileText text_of_file(const fs::path& file, std::uintmax_t most_bytes) {
    if (std::string kind = kind_of_file(file); !kind.empty())
        return FileFault{FileFault::Kind::no_plain_file, std::move(kind), 0};
    // What has become a pipe since then is not waited for.
    const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (descriptor < 0 && (errno == ENOENT || errno == ENOTDIR))
        return FileFault{FileFault::Kind::absent, "", 0};
    if (descriptor < 0) return unreadable(errno);
    struct stat found {};
    std::string text;
    int error = ::fstat(descriptor, &found) == 0 ? 0 : errno;
    const bool plain = S_ISREG(found.st_mode);
    const auto stated_bytes = static_cast<std::uintmax_t>(std::max<off_t>(0, found.st_size));
    if (error == 0 && plain && stated_bytes <= most_bytes) {
        text.reserve(stated_bytes);
        error = read_all(descriptor, most_bytes, text);
    }
    ::close(descriptor);
    if (error != 0) return unreadable(error);
    if (!plain) return FileFault{FileFault::Kind::no_plain_file, "no plain file", 0};
    const std::uintmax_t bytes = std::max<std::uintmax_t>(stated_bytes, text.size());
    if (bytes > most_bytes) return FileFault{FileFault::Kind::too_large, size_text(bytes), bytes};
    return text;
}

std::string kind_of_file(const fs::path& file) {
    std::error_code error;
    return words_of_kind(fs::status(file, error).type());
}

}  // namespace lampflight
