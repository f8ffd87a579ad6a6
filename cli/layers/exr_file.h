// OpenEXR files read by the library's C interface, which is made for several threads at once.
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <OpenEXR/openexr.h>

#include "cli/layers/exr_source.h"

namespace lampflight {

/// A part's channel: whole numbers, half or full floats.
struct ExrChannel {
    exr_pixel_type_t type;
    bool for_every_pixel;
};

struct ExrPart {
    std::string name;
    exr_storage_t storage;
    exr_compression_t compression;
    exr_attr_box2i_t window;
    int rows_at_once;  ///< that are packed together
    std::map<std::string, ExrChannel> channels;

    int width() const { return window.max.x - window.min.x + 1; }
    int height() const { return window.max.y - window.min.y + 1; }
};

/// An open file, its headers looked over. Whatever is wrong with it is thrown as UnfitLayers.
class ExrFile {
public:
    /// `longest_row` and `most_rows` are what its windows may have.
    ExrFile(std::unique_ptr<ExrSource> source, int longest_row, int most_rows);
    ~ExrFile();
    ExrFile(const ExrFile&) = delete;
    ExrFile& operator=(const ExrFile&) = delete;

    std::uint64_t bytes() const;
    const std::vector<ExrPart>& parts() const { return parts_; }

    /// A part's attribute, if there is one and it is text.
    std::optional<std::string> text(int part, const char* attribute) const;

    /// For `ExrRows`: throws for results other than success, with what the source said if it did.
    void check(exr_result_t result) const;
    exr_const_context_t context() const { return context_; }

private:
    struct Reading;

    ExrPart part(int number) const;

    std::unique_ptr<Reading> reading_;
    exr_context_t context_ = nullptr;
    std::vector<ExrPart> parts_;
};

/// Where a channel's samples go.
struct ExrTarget {
    std::string channel;
    exr_pixel_type_t type;  ///< what they become: floats or whole numbers of 32 bits
    void* first;
    std::size_t sample_bytes;  ///< from one to the next
    std::size_t row_bytes;
};

/// Reads rows of a part in plain rows. For one thread; file and targets must outlive it.
class ExrRows {
public:
    ExrRows(const ExrFile& file, int part, std::vector<ExrTarget> targets);
    ~ExrRows();
    ExrRows(const ExrRows&) = delete;
    ExrRows& operator=(const ExrRows&) = delete;

    /// Fills the targets, from a row of theirs on, with those rows that are packed together with
    /// row `y` of the part's, which is counted from its window's first.
    void read(int y, std::size_t to_row);

private:
    void begin(const exr_chunk_info_t& rows);
    void end();

    const ExrFile& file_;
    int part_;
    std::vector<ExrTarget> targets_;
    std::vector<exr_coding_channel_info_t*> channels_;  ///< of the targets, once begun
    exr_decode_pipeline_t decoder_{};
};

}  // namespace lampflight
