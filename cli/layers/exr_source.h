// Where an OpenEXR file's bytes come from.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string_view>

namespace lampflight {

/// What is said of a file that lacks its end.
constexpr std::string_view ended_too_early = "it ends too early";

/// Bytes that several threads may read at once.
class ExrSource {
public:
    virtual ~ExrSource() = default;
    virtual std::uint64_t size() const = 0;

    /// Throws UnfitLayers where there are not so many, or reading fails.
    void read(std::uint64_t place, char* to, std::size_t count) const;

private:
    virtual void read_within(std::uint64_t place, char* to, std::size_t count) const = 0;
};

/// An open file, which it closes at its end. Reads ahead: the library asks for each row of a film,
/// and before for its size, and for rows of several films in turn.
class ExrFileSource : public ExrSource {
public:
    ExrFileSource(int descriptor, std::uint64_t size);
    ExrFileSource(const ExrFileSource&) = delete;
    ExrFileSource& operator=(const ExrFileSource&) = delete;
    ~ExrFileSource() override;
    std::uint64_t size() const override { return size_; }

private:
    struct Threads;

    void read_within(std::uint64_t place, char* to, std::size_t count) const override;
    void read_file(std::uint64_t place, char* to, std::size_t count) const;

    int descriptor_;
    std::uint64_t size_;
    std::unique_ptr<Threads> threads_;
};

/// Bytes in memory, which must outlive it.
class ExrMemorySource : public ExrSource {
public:
    explicit ExrMemorySource(std::string_view bytes) : bytes_(bytes) {}
    std::uint64_t size() const override { return bytes_.size(); }

private:
    void read_within(std::uint64_t place, char* to, std::size_t count) const override;

    std::string_view bytes_;
};

}  // namespace lampflight
