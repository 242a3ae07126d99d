
namespace CaliperStation.Cli;

/// <summary>What was asked of the bench, parsed but not yet looked at: no disk or port was touched.</summary>
internal sealed record MeasureOptions
{
    /// <summary>Path of the standard; null for the demonstration.</summary>
    internal string? Standard { get; init; }

    /// <summary>The blouse; null to be chosen or asked.</summary>
    internal string? Tag { get; init; }

    /// <summary>Initials of the hand, or null.</summary>
    internal string? Hand { get; init; }

    /// <summary>Answers as given, <c>id=value</c>.</summary>
    internal IReadOnlyList<string> Answers { get; init; } = [];

    /// <summary>Asks what the blouse carries where <see cref="Answers"/> does not say; else the first answers hold.</summary>
    internal bool Ask { get; init; }

    /// <summary>A port's name, <c>auto</c>, <c>emulated</c>, <c>none</c> or <c>replay:FILE</c>; null for what the settings say, else <c>auto</c>.</summary>
    internal string? Port { get; init; }

    /// <summary>Rate and framing, <c>9600-8N1</c>; null for what the settings say.</summary>
    internal string? Serial { get; init; }

    /// <summary>What kind of lines come, one of <see cref="Devices.LineDecoders.Names"/>; null for what the settings say.</summary>
    internal string? Format { get; init; }

    /// <summary>Seed of the emulated caliper.</summary>
    internal ulong Seed { get; init; } = 1;

    /// <summary>Lines instead of a screen.</summary>
    internal bool Plain { get; init; }

    /// <summary>JSON Lines instead of words; only with <see cref="Plain"/>.</summary>
    internal bool Json { get; init; }

    /// <summary>Where the store is; null for the usual place.</summary>
    internal string? Store { get; init; }
}
