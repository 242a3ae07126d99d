using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The store cannot be read or written; the message says which file, what is wrong and what to do.</summary>
internal sealed class StoreException : Exception
{
    public StoreException(string message, Exception? inner = null) : base(message, inner)
    {
    }

    /// <summary>True when another bench is writing the store.</summary>
    public bool IsInUse { get; init; }

    /// <summary>True when nothing is wrong with the store: the place that was named is not there, or this account may not use it.</summary>
    public bool IsWrongUsage
    {
        get => field || InnerException is UnauthorizedAccessException;
        init;
    }

    /// <summary>Does something with a file of the store; a fault of the disk or of the account's rights becomes one of these.</summary>
    /// <param name="work">What is done.</param>
    /// <param name="message">The sentences for the user.</param>
    /// <exception cref="StoreException">It failed.</exception>
    internal static T Wrap<T>(Func<T> work, Func<Exception, string> message)
    {
        try
        {
            return work();
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StoreException(message(e), e);
        }
    }

    /// <inheritdoc cref="Wrap{T}"/>
    internal static void Wrap(Action work, Func<Exception, string> message) => Wrap<object?>(() => { work(); return null; }, message);
}
