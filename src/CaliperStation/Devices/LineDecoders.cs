using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

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
    /// <param name="settings">The bench's settings.</param>
    /// <param name="line">How the line is opened; null when it is none. With 7 data bits the eighth is a parity at most: some adapters and every pseudo-terminal leave it in.</param>
    internal static Func<IFrameDecoder> For(Settings settings, SerialSettings? line = null)
    {
        bool masked = settings.MaskBit8 || line?.DataBits == 7;
        AsciiOptions ascii = new(settings.Unit, masked);
        FrameOptions frames = new(ascii, settings.Fine24 ? Bits24Options.Fine : Bits24Options.Default, settings.TwoWord);
        return settings.Format switch
        {
            LineFormat.Bridge => () => new BridgeLineDecoder(frames),
            LineFormat.Ascii => () => new AsciiLineDecoder(ascii),
            LineFormat.Auto => masked ? () => new AsciiLineDecoder(ascii) : () => new AutoLineDecoder(frames),   // every bridge sends eight bits
        };
    }

    /// <summary>Makes decoders for a line that was found: its one form and no other, so that a lost byte cannot turn one form into another.</summary>
    internal static Func<IFrameDecoder> For(Settings settings, FoundLine found)
    {
        bool masked = found.Probe.EighthBit != EighthBit.Clear;
        AsciiOptions ascii = new(settings.Unit, masked, found.Probe.Grammar == AsciiGrammar.None ? null : found.Probe.Grammar);
        return found.Probe.Bridge ? For(settings with { Format = LineFormat.Bridge }) : () => new AsciiLineDecoder(ascii);
    }
}
