// OpenEXR's bytes from and to open files and memory.
#pragma once

#include <cstdint>
#include <memory>
#include <stop_token>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

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

/// Collects a small file in memory.
class ExrMemoryOutput : public Imf::OStream {
public:
    ExrMemoryOutput() : OStream("picture") {}

    void write(const char bytes[], int count) override;
    std::uint64_t tellp() override { return at_; }
    void seekp(std::uint64_t place) override { at_ = place; }

    std::string& bytes() { return bytes_; }

private:
    std::uint64_t at_ = 0;
    std::string bytes_;
};

/// What an exception says that is thrown at the end of a source.
constexpr std::string_view ended_too_early = "it ends too early";

/// A source whose size is known. Throws Iex::InputExc at its end.
class ExrInput : public Imf::IStream {
public:
    using IStream::IStream;
    virtual std::uint64_t size() const = 0;

    /// The same source from its beginning, for another thread.
    virtual std::unique_ptr<ExrInput> again() const = 0;
};

/// Reads an open file through a buffer. The last of those that share it closes it. Throws
/// std::system_error too.
class ExrFileInput : public ExrInput {
public:
    ExrFileInput(int descriptor, std::uint64_t size);

    bool read(char bytes[], int count) override;
    std::uint64_t tellg() override { return at_; }
    void seekg(std::uint64_t place) override { at_ = place; }
    std::uint64_t size() const override { return size_; }
    std::unique_ptr<ExrInput> again() const override;

private:
    struct OpenFile {
        int descriptor;
        ~OpenFile();
    };

    ExrFileInput(std::shared_ptr<const OpenFile> file, std::uint64_t size);
    void read_at(std::uint64_t place, char* to, std::size_t count) const;

    std::shared_ptr<const OpenFile> file_;
    std::uint64_t size_;
    std::uint64_t at_ = 0;
    std::uint64_t buffer_at_ = 0;
    std::vector<char> buffer_;
};

/// Reads bytes in memory, which must outlive it.
class ExrMemoryInput : public ExrInput {
public:
    explicit ExrMemoryInput(std::string_view bytes) : ExrInput("memory"), bytes_(bytes) {}

    bool read(char bytes[], int count) override;
    std::uint64_t tellg() override { return at_; }
    void seekg(std::uint64_t place) override { at_ = place; }
    std::uint64_t size() const override { return bytes_.size(); }
    std::unique_ptr<ExrInput> again() const override {
        return std::make_unique<ExrMemoryInput>(bytes_);
    }

private:
    std::string_view bytes_;
    std::uint64_t at_ = 0;
};

}  // namespace lampflight
