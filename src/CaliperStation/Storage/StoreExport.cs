namespace CaliperStation.Storage;

/// <summary>The records of a sound store as CSV, without a heading, or as JSON Lines: chunks of the journal are made into lines side by side and given on in order.</summary>
/// <remarks>Memory holds a few chunks, whatever the store's size.</remarks>
internal static class StoreExport
{
    /// <summary>Gives the lines on in pieces that end with a line; gives how many records there are, and where the first stands that was left out because it could not be proven.</summary>
    /// <exception cref="StoreException">The journal cannot be read.</exception>
    public static (long Records, string? LeftOut) Write(Journal journal, ExportWish wish, Action<ReadOnlyMemory<byte>> output)
    {
        Queue<Task<ChunkExport>> under = new();
        Stack<ChunkExport> idle = new();
        List<IJournalFile> files = [];
        long records = 0;
        string? leftOut = null;

        void GiveOne()
        {
            ChunkExport done = under.Dequeue().GetAwaiter().GetResult();
            output(done.Output.Written);
            records += done.Records;
            leftOut ??= done.LeftOut;
            idle.Push(done);
        }

        try
        {
            foreach ((string name, long end) in journal.Extents())
            {
                IJournalFile file = journal.OpenSegment(name);
                files.Add(file);
                for (long start = 0; start < end; start += ChunkExport.Size)
                {
                    if (under.Count > 2 * Environment.ProcessorCount)   // so that none waits while the disk takes a chunk
                    {
                        GiveOne();
                    }

                    ChunkExport worker = idle.Count > 0 ? idle.Pop() : new ChunkExport(wish);
                    long from = start;
                    under.Enqueue(Task.Run(() => worker.Take(file, name, from, end)));
                }
            }

            while (under.Count > 0)
            {
                GiveOne();
            }
        }
        catch (IOException e)
        {
            throw new StoreException($"The export stopped: {e.Message}", e);
        }
        finally
        {
            Task.WaitAll([.. under.Select(task => task.ContinueWith(_ => { }, TaskScheduler.Default))]);   // the files stay open until nobody reads them
            files.ForEach(file => file.Dispose());
        }

        return (records, leftOut);
    }
}
