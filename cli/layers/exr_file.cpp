#include "cli/layers/exr_file.h"

#include <algorithm>
#include <exception>
#include <mutex>
#include <new>
#include <utility>

#include "cli/layers/unfit_layers.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

/// The library would print what it finds wrong.
void say_nothing(exr_const_context_t, exr_result_t, const char*) {}

}  // namespace

/// What the library reads through.
struct ExrFile::Reading {
    std::unique_ptr<ExrSource> source;
    std::mutex mutex = {};
    std::exception_ptr trouble = {};  ///< the first; it must not pass through the library

    static std::int64_t read(exr_const_context_t, void* data, void* to, std::uint64_t count,
                             std::uint64_t place, exr_stream_error_func_ptr_t) {
        auto& reading = *static_cast<Reading*>(data);
        const std::uint64_t size = reading.source->size();
        // Headers are read in blocks, the last of which may reach beyond the end.
        const std::uint64_t there = place < size ? std::min(count, size - place) : 0;
        try {
            reading.source->read(place, static_cast<char*>(to), there);
            return static_cast<std::int64_t>(there);
        } catch (...) {
            const std::lock_guard lock(reading.mutex);
            if (!reading.trouble) reading.trouble = std::current_exception();
            return -1;
        }
    }

    static std::int64_t size(exr_const_context_t, void* data) {
        return static_cast<std::int64_t>(static_cast<Reading*>(data)->source->size());
    }
};

ExrFile::ExrFile(std::unique_ptr<ExrSource> source, int longest_row, int most_rows)
    : reading_(new Reading{std::move(source)}) {
    exr_context_initializer_t settings{};
    settings.size = sizeof settings;
    settings.error_handler_fn = say_nothing;
    settings.user_data = reading_.get();
    settings.read_fn = Reading::read;
    settings.size_fn = Reading::size;
    settings.max_image_width = longest_row;
    settings.max_image_height = most_rows;
    settings.flags = EXR_CONTEXT_FLAG_STRICT_HEADER | EXR_CONTEXT_FLAG_DISABLE_CHUNK_RECONSTRUCTION;
    check(exr_start_read(&context_, "layers", &settings));
    try {
        int count = 0;
        check(exr_get_count(context_, &count));
        for (int i = 0; i < count; ++i) parts_.push_back(part(i));
    } catch (...) {
        exr_finish(&context_);
        throw;
    }
}

ExrFile::~ExrFile() {
    exr_finish(&context_);
}

std::uint64_t ExrFile::bytes() const {
    return reading_->source->size();
}

ExrPart ExrFile::part(int number) const {
    ExrPart part{};
    const char* name = nullptr;
    if (exr_get_name(context_, number, &name) == EXR_ERR_SUCCESS && name != nullptr)
        part.name = name;
    check(exr_get_storage(context_, number, &part.storage));
    check(exr_get_compression(context_, number, &part.compression));
    check(exr_get_data_window(context_, number, &part.window));
    if (part.storage == EXR_STORAGE_SCANLINE)
        check(exr_get_scanlines_per_chunk(context_, number, &part.rows_at_once));
    const exr_attr_chlist_t* channels = nullptr;
    check(exr_get_channels(context_, number, &channels));
    for (int i = 0; i < channels->num_channels; ++i) {
        const exr_attr_chlist_entry_t& channel = channels->entries[i];
        part.channels.emplace(
            channel.name.str,
            ExrChannel{channel.pixel_type, channel.x_sampling == 1 && channel.y_sampling == 1});
    }
    return part;
}

std::optional<std::string> ExrFile::text(int part, const char* attribute) const {
    std::int32_t length = 0;
    const char* text = nullptr;
    if (exr_attr_get_string(context_, part, attribute, &length, &text) != EXR_ERR_SUCCESS)
        return std::nullopt;
    return std::string(text, static_cast<std::size_t>(length));
}

void ExrFile::check(exr_result_t result) const {
    if (result == EXR_ERR_SUCCESS) return;
    if (result == EXR_ERR_OUT_OF_MEMORY) throw std::bad_alloc();
    const std::lock_guard lock(reading_->mutex);
    if (reading_->trouble) std::rethrow_exception(reading_->trouble);
    if (result == EXR_ERR_READ_IO) throw UnfitLayers{std::string(ended_too_early)};
    throw UnfitLayers{std::string("it is damaged (") + exr_get_default_error_message(result) + ")"};
}

ExrRows::ExrRows(const ExrFile& file, int part, std::vector<ExrTarget> targets)
    : file_(file), part_(part), targets_(std::move(targets)) {}

ExrRows::~ExrRows() {
    end();
}

void ExrRows::end() {
    if (decoder_.context != nullptr) exr_decoding_destroy(file_.context(), &decoder_);
    decoder_ = {};
}

void ExrRows::begin(const exr_chunk_info_t& rows) {
    end();  // of a try that failed
    std::vector<exr_coding_channel_info_t*> channels;
    file_.check(exr_decoding_initialize(file_.context(), part_, &rows, &decoder_));
    for (const ExrTarget& target : targets_) {
        const auto end = decoder_.channels + decoder_.channel_count;
        const auto channel = std::find_if(decoder_.channels, end, [&](const auto& known) {
            return known.channel_name == target.channel;
        });
        if (channel == end) throw UnfitLayers{"it has no channel " + in_quotes(target.channel)};
        channel->user_bytes_per_element = 4;
        channel->user_data_type = static_cast<std::uint16_t>(target.type);
        channel->user_pixel_stride = static_cast<std::int32_t>(target.sample_bytes);
        channel->user_line_stride = static_cast<std::int32_t>(target.row_bytes);
        channel->decode_to_ptr = static_cast<std::uint8_t*>(target.first);
        channels.push_back(channel);
    }
    file_.check(exr_decoding_choose_default_routines(file_.context(), part_, &decoder_));
    channels_ = std::move(channels);
}

void ExrRows::read(int y, std::size_t to_row) {
    const ExrPart& part = file_.parts()[static_cast<std::size_t>(part_)];
    exr_chunk_info_t rows{};
    file_.check(exr_read_scanline_chunk_info(file_.context(), part_, part.window.min.y + y, &rows));
    // The library would take what follows for the rest.
    if (part.compression == EXR_COMPRESSION_NONE && rows.packed_size != rows.unpacked_size)
        throw UnfitLayers{"it is damaged (a row is too short)"};
    if (channels_.empty())
        begin(rows);
    else
        file_.check(exr_decoding_update(file_.context(), part_, &rows, &decoder_));
    for (std::size_t i = 0; i < targets_.size(); ++i)
        channels_[i]->decode_to_ptr =
            static_cast<std::uint8_t*>(targets_[i].first) + to_row * targets_[i].row_bytes;
    file_.check(exr_decoding_run(file_.context(), part_, &decoder_));
}

}  // namespace lampflight
