// OpenEXR's bytes to an open file.
#pragma once

#include <cstdint>
#include <stop_token>
#include <string>
#include <system_error>

#include <OpenEXR/ImfIO.h>

namespace lampflight {

/// Thrown by a writer whose user wants to stop.
struct WriteStopped {};

/// Writes to an open file through a buffer. Throws std::system_error when the file takes no more,
/// WriteStopped when asked to stop.
class ExrFileOutput : public Imf::OStream {
public:
    ExrFileOutput(int descriptor, std::stop_token stop);

    void write(const char bytes[], int count) override;
    std::uint64_t tellp() override { return at_ + buffer_.size(); }
    void seekp(std::uint64_t place) override;

    /// Hands what is left in the buffer to the file. To be called at the end.
    void flush();

private:
    int descriptor_;
    std::stop_token stop_;
    std::uint64_t at_ = 0;  ///< of the buffer's beginning in the file
    std::string buffer_;
};

}  // namespace lampflight
