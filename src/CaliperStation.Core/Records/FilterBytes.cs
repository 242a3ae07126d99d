using System.Text;

namespace CaliperStation.Core.Records;

/// <summary>A filter's words as they stand in canonical bytes of printable ASCII, to be compared byte by byte.</summary>
/// <remarks>A word beyond ASCII gives bytes that no such record holds, so it wants none of them; those of other records are asked the strict way.</remarks>
internal sealed class FilterBytes(RecordFilter filter)
{
    private readonly byte[]? _tag = Escaped(filter.Tag);
    private readonly byte[]? _hand = Escaped(filter.Hand);
    private readonly byte[]? _item = Escaped(filter.Item);
    private readonly byte[]? _from = Instant(filter.From);
    private readonly byte[]? _until = Instant(filter.Until);

    /// <summary>True when the head of a record is wanted; its hands, items and verdicts are other questions.</summary>
    public bool WantsHead(ReadOnlySpan<byte> tag, ReadOnlySpan<byte> closed) =>
        (_tag is null || Ascii.EqualsIgnoreCase(tag, _tag))
        && (_from is null || closed.SequenceCompareTo(_from) >= 0)   // instants of one length and one zone are in the order of their bytes
        && (_until is null || closed.SequenceCompareTo(_until) < 0);

    /// <summary>True when this hand is wanted.</summary>
    public bool WantsHand(ReadOnlySpan<byte> hand) => _hand is null || Ascii.EqualsIgnoreCase(hand, _hand);

    /// <summary>True when an item is wanted.</summary>
    public bool WantsItem(ReadOnlySpan<byte> item) => _item is null || item.SequenceEqual(_item);

    private static byte[]? Escaped(string? text) => text is null
        ? null
        : Encoding.UTF8.GetBytes(text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal));

    /// <summary>The first whole millisecond that is not before the instant: records know no finer ones.</summary>
    private static byte[]? Instant(DateTimeOffset? at)
    {
        if (at is not { } instant)
        {
            return null;
        }

        long more = instant.UtcTicks % TimeSpan.TicksPerMillisecond;
        bool isLast = DateTimeOffset.MaxValue.UtcTicks - instant.UtcTicks < TimeSpan.TicksPerMillisecond;
        return Encoding.ASCII.GetBytes(RecordWords.Instant(more == 0 || isLast ? instant : instant.AddTicks(TimeSpan.TicksPerMillisecond - more)));
    }
}
