using CaliperStation.Core.Frames;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>How the lines of a serial caliper are read.</summary>
internal enum LineFormat
{
    /// <summary>ASCII lines, until a bridge board is heard.</summary>
    Auto,

    /// <summary>ASCII lines and nothing else.</summary>
    Ascii,

    /// <summary>Lines of a bridge board and nothing else.</summary>
    Bridge,
}

/// <summary>Makes decoders as the settings say.</summary>
internal static class LineDecoders
{
    /// <summary>The formats' names, in the order of <see cref="LineFormat"/>.</summary>
    internal static IReadOnlyList<string> Names { get; } = ["auto", "ascii", "bridge"];

    /// <summary>The format of a name; null when it is none.</summary>
    internal static LineFormat? FormatOf(string name) => name switch
    {
        "auto" => LineFormat.Auto,
        "ascii" => LineFormat.Ascii,
        "bridge" => LineFormat.Bridge,
        _ => null,
    };

    /// <summary>Makes one decoder for each opening of the line.</summary>
    internal static Func<IFrameDecoder> For(Settings settings)
    {
        AsciiOptions ascii = new(settings.Unit, settings.MaskBit8);
        FrameOptions frames = new(ascii, settings.Fine24 ? Bits24Options.Fine : Bits24Options.Default, settings.TwoWord);
        return settings.Format switch
        {
            LineFormat.Bridge => () => new BridgeLineDecoder(frames),
            LineFormat.Ascii => () => new AsciiLineDecoder(ascii),
            LineFormat.Auto => settings.MaskBit8 ? () => new AsciiLineDecoder(ascii) : () => new AutoLineDecoder(frames),   // no bridge leaves bit 8 undefined
        };
    }

    /// <summary>Makes decoders for a line that was found: its one form and no other, so that a lost byte cannot turn one form into another.</summary>
    internal static Func<IFrameDecoder> For(Settings settings, FoundLine found)
    {
        bool masked = found.Probe.EighthBit == EighthBit.Undefined;
        AsciiOptions ascii = new(settings.Unit, masked, found.Probe.Grammar == AsciiGrammar.None ? null : found.Probe.Grammar);
        return found.Probe.Bridge ? For(settings with { Format = LineFormat.Bridge }) : () => new AsciiLineDecoder(ascii);
    }
}
