#include "cli/pictures/write_exr.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfChromaticities.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfOutputFile.h>
#include <OpenEXR/ImfStandardAttributes.h>
#include <OpenEXR/ImfStdIO.h>

#include "cli/pictures/exr_colours.h"
#include "cli/pictures/exr_threads.h"

namespace lampflight {
namespace {

constexpr float largest_half = 65504.0f;
// Below 2^-14 halves lose digits. From here up they keep at least ten stops under the brightest.
constexpr float dimmest_for_halves = 0x1p-4f;

bool halves_hold(const Image& picture) {
    float largest = 0.0f;
    for (const glm::vec3& pixel : picture.pixels)
        for (int i = 0; i < 3; ++i) largest = std::max(largest, std::abs(pixel[i]));
    return largest == 0.0f || (largest >= dimmest_for_halves && largest <= largest_half);
}

template <class Sample>
void write(const Image& picture, Imf::PixelType type, Imf::Header& header, Imf::OStream& stream) {
    std::vector<Sample> samples(3 * picture.pixels.size());
    const auto width = static_cast<std::size_t>(picture.width);
    tbb::parallel_for(0, picture.height, [&](int y) {
        const float* from = floats_of(picture.row(y));
        std::copy_n(
            from, 3 * width,
            samples.begin() + static_cast<std::ptrdiff_t>(3 * width * static_cast<std::size_t>(y)));
    });
    for (int i = 0; i < 3; ++i)
        header.channels().insert(std::string(1, rgb[i]), Imf::Channel(type));
    Imf::OutputFile file(stream, header);
    file.setFrameBuffer(colour_buffer(type, samples.data(), header.dataWindow()));
    file.writePixels(picture.height);
}

}  // namespace

std::string exr_picture_bytes(const Image& over_mid_grey) {
    set_exr_threads();
    Imf::Header header(over_mid_grey.width, over_mid_grey.height);
    header.compression() = Imf::ZIP_COMPRESSION;
    Imf::addChromaticities(header, Imf::Chromaticities());  // the default is Rec. 709 with D65
    Imf::addComments(header, "Linear light relative to mid-grey, which is 1");
    Imf::StdOSStream stream;
    if (halves_hold(over_mid_grey))
        write<half>(over_mid_grey, Imf::HALF, header, stream);
    else
        write<float>(over_mid_grey, Imf::FLOAT, header, stream);
    return stream.str();
}

}  // namespace lampflight
