using CaliperStation.Core.Records;
using CaliperStation.Core.Studies;

namespace CaliperStation.Storage;

/// <summary>What drifts over all filed sittings that are wanted, in the order they were filed. Gathered while the store is opened, so that its bytes are read and proven once; memory does not grow with the store.</summary>
internal sealed class TrendOfStore(TrendFilter filter) : IProvenLines
{
    /// <summary>What was looked at: its counts.</summary>
    public CoatsOfRecords Coats { get; private set; } = new(filter);

    /// <summary>What was gathered.</summary>
    public Trend Trend { get; private set; } = new(filter);

    /// <inheritdoc />
    public void Begin() => (Coats, Trend) = (new(filter), new(filter));

    /// <inheritdoc />
    public void Take(JournalParts line)
    {
        if (line.Kind.SequenceEqual("record"u8) && Coats.Read(line.Body) is { } coat)
        {
            Trend.Add(coat);
        }
    }
}
