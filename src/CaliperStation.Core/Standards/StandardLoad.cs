using System.Diagnostics.CodeAnalysis;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>A standard, or every fault of its text.</summary>
public sealed class StandardLoad
{
    private StandardLoad(Standard? standard, IReadOnlyList<TextFault> faults)
    {
        Standard = standard;
        Faults = faults;
    }

    /// <summary>The standard; null when there is any fault.</summary>
    public Standard? Standard { get; }

    /// <summary>The faults in the order of the text; empty when there is a standard.</summary>
    public IReadOnlyList<TextFault> Faults { get; }

    /// <summary>True when there is a standard.</summary>
    [MemberNotNullWhen(true, nameof(Standard))]
    public bool IsStandard => Standard is not null;

    /// <summary>Loaded.</summary>
    public static StandardLoad Of(Standard standard) => new(standard, []);

    /// <summary>Refused, with at least one fault.</summary>
    public static StandardLoad Refused(IReadOnlyList<TextFault> faults) => new(null, faults);
}
