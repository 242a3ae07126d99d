using CaliperStation.Core.Records;
using CaliperStation.Core.Studies;

namespace CaliperStation.Storage;

/// <summary>What drifts over all filed sittings that are wanted, in the order they were filed. Gathered while the store is opened, so that its bytes are read and proven once.</summary>
/// <remarks>
/// Records are read in batches on the other cores while the next lines are proven: 50 000 of them are wanted in five seconds. Batches are added in their order, and
/// when each core has one, the oldest is waited for, so memory does not grow with the store.
/// </remarks>
/// <param name="filter">What is wanted.</param>
/// <param name="batchSize">How many records are read at once.</param>
internal sealed class TrendOfStore(TrendFilter filter, int batchSize = 64) : IProvenLines
{
    private readonly Queue<Task<Batch>> _read = new();
    private List<ReadOnlyMemory<byte>> _next = [];

    /// <summary>How many records were looked at.</summary>
    public long Seen { get; private set; }

    /// <summary>How many of them were for practice.</summary>
    public long Practice { get; private set; }

    /// <summary>How many could not be read.</summary>
    public long Unreadable { get; private set; }

    /// <summary>What was gathered; whole after <see cref="End"/>.</summary>
    public Trend Trend { get; private set; } = new(filter);

    /// <inheritdoc />
    public void Begin()
    {
        Task.WaitAll(_read);
        _read.Clear();
        _next.Clear();
        (Trend, Seen, Practice, Unreadable) = (new(filter), 0, 0, 0);
    }

    /// <inheritdoc />
    public void Take(JournalParts line)
    {
        if (!line.Kind.SequenceEqual("record"u8))
        {
            return;
        }

        Seen++;
        _next.Add(line.Body.ToArray());
        if (_next.Count == batchSize)
        {
            Read();
        }
    }

    /// <inheritdoc />
    public void End()
    {
        Read();
        while (_read.Count > 0)
        {
            Add();
        }
    }

    private void Read()
    {
        List<ReadOnlyMemory<byte>> records = _next;
        _next = [];
        _read.Enqueue(Task.Run(() =>
        {
            CoatsOfRecords reader = new(filter);
            return new Batch([.. records.Select(record => reader.Read(record.Span)).OfType<TrendCoat>()], reader.Practice, reader.Unreadable);
        }));
        if (_read.Count > Environment.ProcessorCount)
        {
            Add();
        }
    }

    private void Add()
    {
        Batch batch = _read.Dequeue().GetAwaiter().GetResult();
        Practice += batch.Practice;
        Unreadable += batch.Unreadable;
        foreach (TrendCoat coat in batch.Coats)
        {
            Trend.Add(coat);
        }
    }

    private sealed record Batch(IReadOnlyList<TrendCoat> Coats, long Practice, long Unreadable);
}
